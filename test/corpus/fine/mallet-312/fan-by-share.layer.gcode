; M106 from 0 to 1 on this controller
{{# layer.number == 2 }}
M106 S0.4
{{/}}
{{# layer.number == 5 }}
M106 S1
{{/}}
