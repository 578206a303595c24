(abs, mm, feed in steps)
G90
G21
M83
(home)
G28
(bed and tip)
M190 S60
M109 S210
(one stripe)
G1 X10 Y4 Z3 F4800
G1 Z0.32 F360
G1 X100 E7 F960
(up)
G1 Z4 F480
