"""The bundled recording and the program that draws it."""
