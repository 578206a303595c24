M83
G90
G1 E-1.6 F2100
‹should floor.z + 10 <= reach.top›
G1 Z‹floor.z + 10› F600
G1 X-6 Y4 F7500
M0 other wool
G1 E30 F200            ; pushed out left of the bed, taken off by hand
G1 E-1.6 F2100
G1 X‹back.x› Y‹back.y› F7500
G1 Z‹floor.z› F600
‹so be it›
G1 E1.6 F2100
