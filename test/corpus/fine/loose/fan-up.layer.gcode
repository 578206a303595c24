{{# layer.number == 2 }}
M106 S85
{{/}}
{{# layer.number == 3 }}
M106 S170
{{/}}
{{# layer.number == 4 }}
M106 S255
{{/}}
