{{# layer.number % 50 == 0 }}
M117 {{ layer.number }}/{{ layer.count }}
M300 S523 P120
{{/}}
M73 P{{ floor(100 * layer.top / part.top) }}
