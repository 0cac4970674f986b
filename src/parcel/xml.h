/* xml.h - XML from outside, read with care: no document type, so no entities; no network; limits on size and
 * depth. */
#ifndef SV_XML_H
#define SV_XML_H

#include <libxml/parser.h>
#include <libxml/tree.h>

#include "selvedge/base.h"

#define SV_XML_LARGEST ((size_t)64 << 20) /* bytes of a file */
#define SV_XML_DEEPEST 64                 /* elements inside one another */
#define SV_XML_HEAD    ((size_t)64 << 10) /* what stands before the root element lies within this */

/* Never XML_PARSE_NOENT, DTDLOAD, XINCLUDE or HUGE. */
#define SV_XML_OPTIONS (XML_PARSE_NONET | XML_PARSE_BIG_LINES | XML_PARSE_COMPACT)

/* Looks at what stands before the root element. SV_BAD_FORMAT for a document type or an encoding that is not
 * UTF-8; SV_LIMIT when the root has not begun within `bytes`. `whole`: that is all of the file. */
SV_MUST_USE sv_status sv_xml_prolog(const char *name, const char *head, size_t bytes, bool whole,
                                    sv_error *err);

/* The name and namespace of the root element, told from the start of the text without parsing it; false when
 * there is none. For choosing who reads the file. */
bool sv_xml_root(const char *head, size_t bytes, char space[256], char local[64]);

/* The first complaint of libxml2; a structured error handler's data. */
typedef struct sv_xml_complaint {
    bool any;
    long line;
    char text[300];
} sv_xml_complaint;
void sv_xml_complain(void *complaint, xmlErrorPtr error);
/* "name:line: text", in the form of sv_fail. */
sv_status sv_xml_refuse(const char *name, const sv_xml_complaint *c, sv_error *err);

/* Reads a whole document into a tree (16 MB at most are wanted). The caller frees it with xmlFreeDoc. */
SV_MUST_USE sv_status sv_xml_tree(const char *name, const char *text, size_t bytes, xmlDocPtr *out,
                                  sv_error *err);

#endif
