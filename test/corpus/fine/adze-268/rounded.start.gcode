; A stripe in the shape of a U round the front left corner, so that the bead is never torn off at a sharp end.
G90
G21
G17
M82
G28
M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}
G92 E0
G1 Z9 F900
G1 X-128 Y-60 F9000
G1 Z0.4 F900
G1 Y-105 E4.6 F960
G3 X-118 Y-115 I10 J0 E6.2
G1 X-66 E11.5
G92 E0
G1 Z3 F900
M117 Off we go
