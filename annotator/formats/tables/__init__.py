"""Tables as spreadsheets read and write them."""
