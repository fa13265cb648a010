"""One module per format, text to values and back (`loads`, `dumps`); no path is opened here."""
