"""Where everybody is, a tenth of a second apart, from the start of a motion to the fits; made only when asked for."""
