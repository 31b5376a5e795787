"""The version of the program, which knowledge folders and kept talks may name."""

from typing import Final

VERSION: Final = "0.1.0"
