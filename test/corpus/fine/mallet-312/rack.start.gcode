; Mallet: tools by the rack's own routines. Each tool that is used gets its two heats; the ones that wait are kept soft.
G21
G90
M83
M140 S{{ heat.bed.first }}
G28
{{# tools }}
G10 P{{ number }} S{{ temperature.first }} R{{ temperature.first - 60 }}
{{/ tools }}
M190 S{{ heat.bed.first }}
G29
T{{ tool.first }}
M116
G1 X8 Y12 Z6 F15000
G1 Z0.3 F1200
G1 X122 E8.8 F1320
G1 X131 F6000
G1 Z2 F1200
