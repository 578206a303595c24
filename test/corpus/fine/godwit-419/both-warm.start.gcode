; M568 gives each tool its two heats, A2 says that it works, M116 waits for all
G21
G90
M83
M140 S{{ heat.bed.first }}
{{# tools }}
M568 P{{ number }} S{{ temperature.first }} R{{ temperature.first - 55 }} A2
{{/ tools }}
G28
M190 S{{ heat.bed.first }}
M116
T{{ tool.first }}
G1 X10 Y5 Z6 F15000
G1 Z0.3 F900
G1 X118 E8.1 F1260
G1 Z2 F900
