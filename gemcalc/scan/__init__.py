"""A stone's girdle from a scan: reading files, fitting the outline, laying a model over it."""
