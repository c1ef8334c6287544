"""Charts: files of snaps, read, mended and put into our words."""
