; stripe close to where the part begins, but never under it
M83
G90
M104 S‹nib - 80›
M140 S‹slab›
G28
G1 Z12 F600
M190 S‹slab›
M109 S‹nib›
‹should south >= 8›
G1 X‹max(3, min(west, 130))› Y‹max(3, south - 12)› F7500
‹or else›
G1 X4 Y194 F7500       ; the part stands at the front: then behind it
‹so be it›
G1 Z0.28 F480
G91
G1 X80 E6.3 F1080
G1 Z2 F600
G90
