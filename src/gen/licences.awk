# Makes docs/licences.md from data/papers/licences.tsv.
BEGIN {
    FS = "\t"
    print "# Licences\n\nMade from data/papers/licences.tsv (`make docs`; `selvedge data --licences` prints the same).\n"
    print "| name | what | licence | told by |\n|---|---|---|---|"
}
NR > 2 && !/^#/ { printf "| %s | %s | %s | %s |\n", $1, $2, $3, $4 }
END {
    print "\n## The licence of Selvedge (MIT)\n\nCopyright (c) 2026 the Selvedge contributors\n"
    print "Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation"
    print "files (the \"Software\"), to deal in the Software without restriction, including without limitation the rights to use, copy,"
    print "modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the Software"
    print "is furnished to do so, subject to the following conditions:\n"
    print "The above copyright notice and this permission notice shall be included in all copies or substantial portions of the Software.\n"
    print "THE SOFTWARE IS PROVIDED \"AS IS\", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES"
    print "OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE"
    print "LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN"
    print "CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE."
}
