; one spool off, the next on
M83
G90
{{# layer.top + 10 <= reach.top }}
G1 E-2.5 F1500
G1 Z{{ layer.top + 10 }} F300
G1 X124 Y4 F4500
M0 new thread, until the colour is clean
G1 E2.5 F600
{{/}}
{{^ layer.top + 10 <= reach.top }}
M117 no room for a swap so high up
{{/}}
