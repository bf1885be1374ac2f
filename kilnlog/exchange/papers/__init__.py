"""Papers that leave the mill: quality record, charge report, weigh sheet, board labels, customer workbook."""
