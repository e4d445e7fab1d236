"""The desk: one function for each deed of a teacher."""
