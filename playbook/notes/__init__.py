"""What coaches write to each other: on a look, a call, a day, a week. Players never see it."""
