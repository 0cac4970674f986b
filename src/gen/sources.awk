# Lists every distinct source of the tables given, by table, as Markdown: docs/sources.md.
BEGIN {
    FS = "\t"
    print "# Sources\n\nMade from the `source` columns of data/ and tests/expected/ (`make docs`). Rows marked `memory` were read in no source;"
    print "`selvedge data` counts them. Editions stand in the words of the source; the day it was last read stands in the rows (`as_of`)."
}
FNR == 1 {
    name = FILENAME; sub(/\.tsv$/, "", name); at = 0
    for (i = 1; i <= NF; i++) if ($i == "source") at = i
    if (!at) next
    heading = "\n## " name "\n"
    delete seen
    next
}
/^#/ || !at || $at == "" { next }
seen[$at]++ { next }
{
    if (heading != "") { print heading; heading = "" }
    s = $at; gsub(/\|/, "\\|", s); gsub(/\\t|\\n/, " ", s)
    print "* " s
}
