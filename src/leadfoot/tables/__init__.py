"""Tables: any file of rows and columns as cells, before anything is understood."""
