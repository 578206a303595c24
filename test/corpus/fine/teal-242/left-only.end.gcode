M104 T0 S0
M104 T1 S0
M140 S0
M83
G1 E-1.1 F2100
G90
{{# reach.top - part.top > 12 }}
G1 Z{{ part.top + 12 }} F720
G28 X Y
{{/}}
M106 S0
M84 S120            ; two minutes, so that the bed does not roll away while it is unloaded
