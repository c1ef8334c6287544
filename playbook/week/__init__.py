"""A week of preparation: looks to expect, call menu, install plan, sheets, quiz results and grades."""
