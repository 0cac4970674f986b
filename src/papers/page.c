/* page.c - building the display list. */
#include "papers/page.h"

sv_page *sv_page_add(sv_pages *pages, int32_t w, int32_t h)
{
    sv_page *page = SV_NEW(pages->arena, sv_page);
    if (page == NULL) return NULL;
    page->w = w;
    page->h = h;
    if (pages->last == NULL)
        pages->first = page;
    else
        pages->last->next = page;
    pages->last = page;
    pages->count++;
    return page;
}

sv_mark *sv_mark_add(sv_pages *pages, sv_page *page, sv_mark_kind kind)
{
    sv_mark *mark = page == NULL ? NULL : SV_NEW(pages->arena, sv_mark);
    if (mark == NULL) return NULL;
    mark->kind = kind;
    mark->name = "";
    if (page->last == NULL)
        page->first = mark;
    else
        page->last->next = mark;
    page->last = mark;
    return mark;
}

void sv_page_name(sv_pages *pages, sv_page *page, const char *label)
{
    sv_page_label *l = SV_NEW(pages->arena, sv_page_label), **end = &page->label;
    if (l == NULL || *label == '\0') return;
    l->text = sv_copy(pages->arena, label);
    while (*end != NULL)
        end = &(*end)->next;
    *end = l;
}
