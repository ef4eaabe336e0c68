# Writes a .cpp with a file's text as `ridepitch::view::demo_text`.
file(READ ${INPUT} text)
file(WRITE ${OUTPUT} "namespace ridepitch::view {\nextern const char* const demo_text;\nconst char* const demo_text = R\"demo(${text})demo\";\n}\n")
