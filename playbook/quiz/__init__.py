"""The quiz: questions on pictures of a player's own week, apart in days, and what his coaches see of it."""
