M83
G1 E-1.3 F2400
G90
{{# layer.top + 10 <= reach.top }}
G1 Z{{ layer.top + 10 }} F1000
G1 X-12 Y-2 F12000
{{/}}
M291 P"Insert the bearing, seam to the door" R"Rasp" S3
G1 E1.3 F1800
