"""Pages that take a file: a scanned girdle, a model against the stone, a CAD model's weight."""
