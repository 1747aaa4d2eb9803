"""The command line, serving the workbook and the client's page, fetching the libraries."""
