<! note lesser(bench-heat, 90) as soft-bench !>
G21
G90
M82
M140 S<:soft-bench:>
G28
G1 Z30 F960
M190 S<:bench-heat:>
T<:first-edge:>
M109 S<:edge-heat:>
G92 E0
G1 X-112 Y100 F9600
G1 Z0.32 F600
G1 X-20 E8 F1080
G92 E0
G1 Z2 F960
