async def shore(request):
    raise NotImplementedError


async def single(request):
    raise NotImplementedError


async def place(request):
    raise NotImplementedError
