#!/bin/sh
# Writes an assembler file that carries the tables made ready (BUILD/gen/tables/ROOM/NAME.table) and the form
# templates, and their list. $1 .S out, $2.. files
set -eu
out=$1
shift
{
    echo "/* Made by src/gen/builtins.sh. Do not edit. */"
    echo '	.section .rodata'
    n=0
    for f in "$@"; do
        printf '\t.balign 16\nsv_file_%d:\n\t.incbin "%s"\nsv_file_%d_end:\n\t.byte 0\n' $n "$f" $n
        n=$((n + 1))
    done
    n=0
    for f in "$@"; do
        name=${f##*/gen/tables/}
        name=${name%.table}
        printf 'sv_name_%d:\t.asciz "%s"\n' $n "$name"
        n=$((n + 1))
    done
    printf '\t.section .data.rel.ro,"aw"\n\t.balign 16\n\t.globl sv_builtins\n\t.type sv_builtins, @object\nsv_builtins:\n'
    i=0
    while [ $i -lt $n ]; do
        printf '\t.quad sv_name_%d, sv_file_%d, sv_file_%d_end\n' $i $i $i
        i=$((i + 1))
    done
    printf '\t.size sv_builtins, .-sv_builtins\n'
    printf '\t.section .rodata\n\t.balign 8\n\t.globl sv_builtin_count\n\t.type sv_builtin_count, @object\n\t.size sv_builtin_count, 8\nsv_builtin_count:\n\t.quad %d\n' "$n"
    printf '\t.section .note.GNU-stack,"",%%progbits\n'
} >"$out.new"
mv "$out.new" "$out"
