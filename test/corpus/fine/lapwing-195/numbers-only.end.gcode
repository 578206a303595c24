N10 M83
N20 G1 E-1.8 F1800
N30 M104 S0
N40 M140 S0
N50 G90
N60 G1 Z{{ min(part.top + 6, 172) }} F400
; the rail cars of this list are 62 high, so it always rises
N70 G1 X195 Y180 F5600
N80 M106 S0
N90 M84
