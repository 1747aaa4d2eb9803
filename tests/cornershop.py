"""A small whole shop in files, to spoil one cell of and see what is said."""

from pathlib import Path

from pricelab.files.faults import ShopFaults
from pricelab.files.shop_folder import ShopFolder, read_shop

CORNER_SHOP = {
    "shop.csv": """\
setting,value,note
name,Corner Caps,
currency,USD,
unit,in,
labour rate,24,an hour
overhead rate,6,
target margin,40 %,
floor margin,25 %,
price step,0.25,
sales tax,6.5 %,
""",
    "blanks.csv": """\
blank,name,make-up,panel width,panel height,pack,heat limit,care
twill,Twill cap,six panels,5,2 1/4,1,330,wash cold
mesh,Mesh cap,five panels,120 mm,2.5,12,,
""",
    "blank_prices.csv": """\
blank,from,price
twill,1,6.90
twill,12,5.95
mesh,1,4.80
mesh,48,4.10
""",
    "methods.csv": """\
method,name,grid,set-up,repeat set-up,spoilage,max width,max height,smallest side,heat,care
leather,Leather patch,leather,45,0,2 %,5,4,0.75,300,wipe clean
vinyl,Cut vinyl,,0,0,3 %,8,8,0.5,,
flat,Flat embroidery,,32,0,2 %,5,2.5,0,,
""",
    "stitching.csv": """\
method,speed,heads,thread price,change minutes,attended,station
flat,700,2,0.16,1.5,no,
""",
    "rolls.csv": """\
method,roll width,edge,gap,price
vinyl,15,0.5,0,0.21
""",
    "promotions.csv": """\
method,starts,ends,set-up
leather,2026-11-20,2026-12-06,0
""",
    "operations.csv": """\
method,operation,minutes,per,batch,time,station
,take the order,12,order,,attended,
leather,press,0.5,piece,,dwell,cap press
vinyl,weed,2,piece,,attended,
""",
    "costs.csv": """\
method,cost,element,level,amount,batch
,carton,packing,batch,2.10,48
,card fee,fees,revenue,2.9 %,
leather,cover sheet,consumables,piece,0.04,
""",
    "grids/leather.csv": """\
mean of sides (in),12,24,48
up to 1.50,3.65,2.80,2.15
1.51–2.00,4.40,3.40,2.60
2.01–2.50,5.10,3.95,3.05
""",
    "price_list.csv": """\
method,blank,size,12,24,48
leather,twill,2,25.00,20.75,17.50
leather,twill,2.5,27.50,22.75,19.00
flat,mesh,3,,18.00,15.00
""",
    "jobs.csv": """\
job,date,client,method,blank,width,height,quantity,order,price each,set-up charged,charged,\
attended minutes,machine minutes,spoiled pieces
J1,2026-05-19,Old Lantern,leather,twill,2 1/2,2,24,first,20.75,70,568.00,60,40,1
J2,2026-05-20,Two Herons,flat,mesh,3,2,48,repeat,15.00,0,720.00,,,
""",
}


class CornerShop:
    """The small shop in a folder of its own, whose files a test may change."""

    def __init__(self, folder: Path):
        self.folder = folder
        for file, text in CORNER_SHOP.items():
            self.write(file, text)

    def write(self, file: str, content: str | bytes) -> None:
        """Put a file in the folder."""
        path = self.folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())

    def change(self, file: str, old: str, new: str) -> None:
        """Replace what stands once in a file."""
        text = (self.folder / file).read_bytes().decode()
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        self.write(file, text.replace(old, new))

    def read(self) -> ShopFolder:
        """The folder as it is read."""
        return read_shop(self.folder)

    def faults(self) -> list[str]:
        """What is said when the folder is read, a fault each; none if it is whole."""
        try:
            self.read()
        except ShopFaults as refused:
            return str(refused).split("\n")
        return []
