"""How a page is drawn: data in millimetres, places for labels, files. It knows no marking."""
