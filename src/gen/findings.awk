# Makes from data/findings.tsv: codes.h (the enum) or finding_rows.inc (the rows). -v what=enum|rows
BEGIN {
    FS = "\t"
    if (what == "enum") {
        print "/* Made from data/findings.tsv by src/gen/findings.awk. Do not edit. */"
        print "#ifndef SELVEDGE_CODES_H\n#define SELVEDGE_CODES_H\n\ntypedef enum sv_code {"
    } else if (what == "rows") {
        print "/* Made from data/findings.tsv by src/gen/findings.awk. Do not edit. */"
    } else {
        print "# Findings\n\nMade from data/findings.tsv (`make docs/findings.md`). Every message of the tool is one of these. {1} to {4} stand for what"
        print "the message is about. A stop keeps papers from being written; a recorded reason overrides it unless it is marked final."
        print "\n| code | severity | blocks | message | remedy |\n|---|---|---|---|---|"
    }
}
function quote(s) { gsub(/\\/, "\\\\", s); gsub(/"/, "\\\"", s); return "\"" s "\"" }
function name(s) { s = toupper(s); gsub(/-/, "_", s); return "SV_F_" s }
/^#/ || NR == 1 || NF == 0 { next }
NF != 5 { printf "data/findings.tsv:%d: five columns are wanted, here are %d\n", NR, NF > "/dev/stderr"; exit 1 }
seen[$1]++ { printf "data/findings.tsv:%d: the code %s stands twice\n", NR, $1 > "/dev/stderr"; exit 1 }
$1 !~ /^[a-z][a-z0-9-]*$/ || $2 !~ /^(stop!?|caution|note)$/ || $3 !~ /^(everything|declaration|data|nothing)$/ {
    printf "data/findings.tsv:%d: bad code, severity or blocks\n", NR > "/dev/stderr"; exit 1
}
{
    severity = $2; sub(/!/, "", severity)
    final = $2 == "stop!" ? "true" : "false"
    if (what == "enum") printf "    %s,\n", name($1)
    else if (what == "rows") printf "SV_CODE(%s, %s, SV_%s, SV_BLOCKS_%s, %s, %s, %s)\n", name($1), quote($1), toupper(severity), toupper($3), final, quote($4), quote($5)
    else printf "| `%s` | %s | %s | %s | %s |\n", $1, (final == "true" ? "stop, final" : severity), $3, $4, $5
}
END { if (what == "enum") print "    SV_F_COUNT\n} sv_code;\n\n#endif" }
