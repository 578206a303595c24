; Another colour by hand, out over the left edge
M83
G90
G1 E-1 F2100
{{# layer.top + 8 <= reach.top }}
G1 Z{{ layer.top + 8 }} F540
G1 X-3 Y20 F7200
M117 Take out, put in, press
{{/}}
M600                ; asks on the display, and comes back to where it was called
G1 E1 F2100
