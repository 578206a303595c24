G91
M83
G1 E-2 F1980        ; let go
{{# part.top + 7 <= reach.top }}
G1 Z7 F510
{{/}}
G90
M140 S0
M104 S0
M107
{{# part.top + 7 <= reach.top }}
G1 X-3 Y174 F6000
{{/}}
M300 P400 S660
M84
