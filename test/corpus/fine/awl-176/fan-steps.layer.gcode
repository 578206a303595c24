{{# layer.number == 2 }}
M106 S35
{{/}}
{{# layer.number == 6 }}
M106 S100
{{/}}
