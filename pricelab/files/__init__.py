"""The shop's own files: tables read with every fault told at once, edited, and saved whole.

The way in is `pricelab.files.shop_folder.read_shop`.
"""
