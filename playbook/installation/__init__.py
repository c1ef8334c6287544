"""The installation itself: its first admin, its name, and the way through the first visit."""
