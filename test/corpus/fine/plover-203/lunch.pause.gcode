; For the noon bell: away from the part, tip cool, bed warm so that the part stays where it is.
M117 Back after lunch
G60
G91
M83
G1 E-1.2 F2100
G1 Z4 F540
G90
G1 X0 Y180 F7200
M104 S120
M0 Press when you are back
M109 S{{ heat.nozzle.later }}
G1 E2.6 F300        ; make good what has dripped, over the front, and take the thread off by hand
G1 E-1.2 F2100
G61 X Y F7200
G91
G1 Z-4 F540
G1 E1.2 F2100
G90
