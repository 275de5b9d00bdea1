"""The pages: the same desk as the command line, over HTTP on this machine."""
