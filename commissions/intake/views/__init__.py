"""Split by what is done: the front page, answering, pictures, sending, coming back, the studio's side."""
