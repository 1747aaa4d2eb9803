"""The shop's own files: reading a folder with every fault in one report.

The way in is `pricelab.files.shop_folder.read_shop`.
"""
