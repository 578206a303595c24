M83
G90
G1 E-1.2 F2400
{{# layer.top + 5 <= reach.top }}
G1 Z{{ layer.top + 5 }} F840
G1 X-15 Y40 F10800
{{/}}
M104 S{{ heat.nozzle.later - 70 }}
M0
M109 S{{ heat.nozzle.later }}
{{# layer.top + 5 <= reach.top }}
G1 Z0.6 F840           ; down beside the bed
G1 Y120 E9 F900        ; a thread along the tin
G1 Z{{ layer.top + 5 }} F840
{{/}}
