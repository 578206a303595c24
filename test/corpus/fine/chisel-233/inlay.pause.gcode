M83
G1 E-1.4 F2400
G90
G1 Z<: lesser(cut-top + 18, reach.top) :> F960
G1 X-118 Y-106 F9600
M0
G1 X<:go-on-x:> Y<:go-on-y:> F9600
G1 Z<:cut-top:> F960
G1 E1.4 F2400
