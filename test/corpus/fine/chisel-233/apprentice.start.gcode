<* everything in its order: modes, bed, home, tip, stripe *>
G90
G21
M83
M190 S<:bench-heat:>
G28
T<:first-edge:>
M109 S<:edge-heat:>
G1 X-110 Y-98 Z5 F9600
G1 Z0.3 F960
G1 X-15 E7.6 F1140
G1 Z2 F960
