# Makes from data/lexicon/facts.tsv: facts.h (-v what=enum) or fact_rows.inc (-v what=rows).
BEGIN {
    FS = "\t"
    print "/* Made from data/lexicon/facts.tsv by src/gen/facts.awk. Do not edit. */"
    if (what == "enum") print "#ifndef SELVEDGE_FACTS_H\n#define SELVEDGE_FACTS_H\n\n/* A fact is one row of the table; its values count from 1 in the order they stand there. */"
}
function up(s) { s = toupper(s); gsub(/[^A-Z0-9]/, "_", s); return s }
function quote(s) { gsub(/\\/, "\\\\", s); gsub(/"/, "\\\"", s); return "\"" s "\"" }
NR == 1 { for (i = 1; i <= NF; i++) at[$i] = i; next }
/^#/ || NF == 0 { next }
{
    n++
    facts[n] = $(at["fact"]); values[n] = $(at["values"]); question[n] = $(at["question"])
}
END {
    if (what == "enum") {
        print "enum sv_fact_id {"
        for (i = 1; i <= n; i++) printf "    SV_FACT_%s,\n", up(facts[i])
        print "    SV_FACT_COUNT\n};\n"
        for (i = 1; i <= n; i++) {
            if (values[i] == "no yes") continue
            m = split(values[i], v, " ")
            printf "enum {"
            for (j = 1; j <= m; j++) printf "%s SV_%s_%s = %d", (j > 1 ? "," : ""), up(facts[i]), up(v[j]), j
            print " };"
        }
        print "\nenum { SV_NO = 1, SV_YES = 2 };\n\n#endif"
    } else {
        # The values one after the other, each with its end mark, so that each is a text of its own.
        for (i = 1; i <= n; i++) gsub(/ /, "\\0", values[i])
        for (i = 1; i <= n; i++) printf "SV_FACT_ROW(SV_FACT_%s, %s, %s, %s)\n", up(facts[i]), quote(facts[i]), "\"" values[i] "\"", quote(question[i])
    }
}
