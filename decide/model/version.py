"""The version of the program, which kept talks may name, and the form of knowledge that it reads."""

from typing import Final

VERSION: Final = "0.1.0"
# Goes up when a folder that was right is no longer read, or is read otherwise.
KNOWLEDGE_FORM: Final = 1
