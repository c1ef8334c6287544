"""Documents as PDF: position booklet, one-look sheet, call book, install by group."""
