# The worked frames of link-protocol.md as C: name, bytes in hex, and the fields as the document says them.
/^```frame / { name = $2; hex = ""; fields = ""; inside = 1; next }
/^```/ && inside { printf "{ \"%s\", \"%s\", \"%s\" },\n", name, hex, fields; inside = 0; next }
inside && / = / { fields = fields $0 "\\n"; next }
inside { hex = hex " " $0 }
