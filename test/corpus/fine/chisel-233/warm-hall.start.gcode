<! provided bench-heat > 0 !>
M190 S<:bench-heat:>
<! instead !>
M117 cold bench, glue on?
M0
<! thus far !>
G28
G90
M83
T<:first-edge:>
M109 S<: edge-heat + 5 when bench-heat = 0 and edge-heat < 270 else edge-heat :>
G1 X110 Y-20 Z3 F8400
G1 Z0.25 F900
G1 Y70 E6.6 F1200
M104 S<:edge-heat:>
G1 Z1.5 F900
