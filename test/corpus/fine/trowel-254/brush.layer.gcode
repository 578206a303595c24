; every 25th layer once through the brush: over there above the part, down beside the bed, and up again
{{# layer.number % 25 == 0 && layer.top < 150 }}
M83
G90
G1 E-0.9 F2400
G1 Z{{ layer.top + 2 }} F840
G1 X-15 Y207 F12000
G1 Z0.8 F840
G1 Y231 F6000
G1 Y206 F6000
G1 Z{{ layer.top + 2 }} F840
G1 E0.9 F2400
{{/}}
