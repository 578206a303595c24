; Both nozzles are warmed, each draws a stripe of its own, and the job begins with the one it wants.
G21
G90
M83
T0
M140 S{{ heat.bed.first }}
{{# tools }}
M104 T{{ number }} S{{ temperature.first - 70 }}
{{/ tools }}
G28
G1 Z25 F720
M190 S{{ heat.bed.first }}
{{# tools }}
M109 T{{ number }} S{{ temperature.first }}
T{{ number }}
G1 X{{ 20 + 100 * number }} Y5 F9000
G1 Z0.3 F720
G1 X{{ 105 + 100 * number }} E7 F1080
G1 E-2.4 F2400      ; they wait pulled back, as our swap leaves them
G1 Z5 F720
{{/ tools }}
T{{ tool.first }}
G1 E2.4 F2400
