"""What follows from the record: all computation. No Qt, no SQL, no files, no clock."""
