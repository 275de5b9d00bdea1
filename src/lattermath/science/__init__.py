"""Pure kernels: arrays in, arrays out; no table, no clock, no file."""
