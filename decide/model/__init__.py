"""What a situation and an advice are made of, how they are read, and the units and errors that all rooms
share.
"""
