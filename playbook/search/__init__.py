"""Search over everything a person may see, by what people call it."""
