"""What several views show: the surface with its layers, the tissue in section, and their words."""
