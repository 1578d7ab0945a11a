"""Whether a finished folder holds what its readers may not see, in whatever it is wrapped."""
