; The spool is topped up here. Pulled back only as far as the tube needs.
M83
G1 E-5 F1200
G90
{{# layer.top + 10 <= reach.top }}
G1 Z{{ layer.top + 10 }} F330
G1 X0 Y168 F5400
{{/}}
M0
G1 E5 F600
