"""Pictures of a manual as SVG, worked out from data: nothing is drawn by hand and nothing is a raster.

Each function makes a `Picture`: marks whose places are decided, and the same in words. `svg` writes it.
Colour never stands alone; texts are never cut; the same data give the same bytes.
"""
