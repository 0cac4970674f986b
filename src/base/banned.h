/* banned.h - functions that this project does not use; including it turns a use into a compile error that
 * says so. */
#ifndef SV_BANNED_H
#define SV_BANNED_H

#define BANNED(name) use_of_##name##_is_banned
#undef strcpy
#define strcpy(...) BANNED(strcpy)
#undef strcat
#define strcat(...) BANNED(strcat)
#undef sprintf
#define sprintf(...) BANNED(sprintf)
#undef vsprintf
#define vsprintf(...) BANNED(vsprintf)
#undef strtok
#define strtok(...) BANNED(strtok)
#undef atoi
#define atoi(...) BANNED(atoi)
#undef atof
#define atof(...) BANNED(atof)
#undef gets
#define gets(...) BANNED(gets)

#endif
