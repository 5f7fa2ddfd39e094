"""One JSON object in, one JSON object out: the command face of the figures."""
