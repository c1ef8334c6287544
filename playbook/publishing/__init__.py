"""What players are given of a week: made once, never what is being edited."""
