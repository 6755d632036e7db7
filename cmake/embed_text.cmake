# cmake -DOUTPUT=FILE.c -DFILE=TEXT -DHEADER=layer/header.h -DNAME=variable
#       -P embed_text.cmake: a text as the string that the header declares.
file(READ ${FILE} bytes HEX)
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
string(REGEX REPLACE "(0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,)" "\\1\n" bytes "${bytes}")
file(WRITE ${OUTPUT} "#include \"${HEADER}\"\n\nstatic const unsigned char bytes[] = {\n${bytes}0};\nconst char *const ${NAME} = (const char *)bytes;\n")
