"""The finished part held against its drawing."""
