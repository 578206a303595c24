G90
M83
G21
M190 S‹slab›
G28
M109 S‹nib›
G1 X212 Y15 Z4 F8100
G1 Z0.27 F480
‹should cloth == "silk"›
G1 Y75 E3.9 F540       ; soft: slowly, or it folds up in front of the wheel
‹or should cloth == "flax"›
G1 Y115 E7.1 F1200
‹or else›
G1 Y105 E6.5 F1200
‹so be it›
G1 E‹cloth == "silk" ? -0.3 : -0.8› F2100
G1 Z2 F600
G1 E‹cloth == "silk" ? 0.3 : 0.8› F2100
