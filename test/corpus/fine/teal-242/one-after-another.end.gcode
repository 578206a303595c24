{{# tools }}
M104 T{{ number }} S0
{{/ tools }}
M140 S0
M107
G90
M83
G1 E-1.5 F2400
{{# part.top + 6 <= reach.top }}
G1 Z{{ part.top + 6 }} F720
G1 X-6 Y215 F9000
{{/}}
M84
