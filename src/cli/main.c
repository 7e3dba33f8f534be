#include <stdio.h>

int main(void)
{
	puts("dewpost");
	return 0;
}
