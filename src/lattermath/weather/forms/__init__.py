"""The forms of weather file that can be read, one module each."""
