"""The recipe language: text to records and back.  It knows no tool and no claim by name."""
